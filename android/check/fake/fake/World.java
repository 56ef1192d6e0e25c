package fake;

import java.io.File;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** What the stand-ins of the system's classes answer, and what was asked of them. */
public final class World {
    /** The folder that stands for the app's own. */
    public static File own;
    /** Files of other apps: an address, and the file that stands for what is there. */
    public static final Map<String, File> others = new HashMap<>();
    /** What other apps call them. */
    public static final Map<String, String> names = new HashMap<>();
    /** What the operator presses in a dialog: 1 yes, 0 no, -1 back. */
    public static int presses = 1;
    /** What the operator answers to the system's question for the camera. */
    public static boolean allows = true;
    public static boolean cameraAllowed = false;
    /** What the operator chooses when asked for a file; null for nothing. */
    public static android.content.Intent chosen;
    public static boolean hasFileApp = true;
    public static final android.content.res.Configuration looks = new android.content.res.Configuration();
    public static int turned = 0;

    private static final List<String> log = new ArrayList<>();

    public static synchronized void log(String line) {
        log.add(line);
    }

    /** What was asked since this was last called, a line each. */
    public static synchronized String taken() {
        String all = String.join("\n", log);
        log.clear();
        return all;
    }

    /** Starts an activity as the system does; with an address, opened by another app. */
    public static lantern.ring.LanternActivity start(String folder, String opened) {
        own = new File(folder);
        cameraAllowed = false;
        lantern.ring.LanternActivity activity = new lantern.ring.LanternActivity();
        activity.begin(opened == null ? null : view(opened));
        return activity;
    }

    /** Another app opens a file with the activity that is there. */
    public static void openWith(lantern.ring.LanternActivity activity, String address) {
        activity.again(view(address));
    }

    /** A file of another app. */
    public static void other(String address, String name, String path) {
        others.put(address, new File(path));
        names.put(address, name);
    }

    /** The operator chooses these, a line each, when next asked. */
    public static void choose(String addresses) {
        android.content.Intent intent = new android.content.Intent("chosen");
        String[] lines = addresses.split("\n");
        if (lines.length == 1) {
            intent.setData(android.net.Uri.parse(lines[0]));
        } else {
            android.content.ClipData clip = android.content.ClipData.newRawUri("", android.net.Uri.parse(lines[0]));
            for (int i = 1; i < lines.length; i++) {
                clip.addItem(new android.content.ClipData.Item(android.net.Uri.parse(lines[i])));
            }
            intent.setClipData(clip);
        }
        chosen = intent;
    }

    public static void answer(int pressed, boolean allowed) {
        presses = pressed;
        allows = allowed;
    }

    public static void look(int uiMode, float fontScale, int rotation) {
        looks.uiMode = uiMode;
        looks.fontScale = fontScale;
        turned = rotation;
    }

    /** Reads an address as another app does that was given it: the file's name, its size and its text, a line each. */
    public static String readShared(String address, String mode) throws Exception {
        lantern.ring.OutgoingProvider provider = new lantern.ring.OutgoingProvider();
        android.net.Uri uri = android.net.Uri.parse(address);
        android.database.Cursor row = provider.query(uri, null, null, null, null);
        String told = row.moveToFirst() ? row.getString(0) + "\n" + row.getString(1) : "nothing";
        File file = provider.openFile(uri, mode).file;
        return told + "\n" + new String(java.nio.file.Files.readAllBytes(file.toPath()), "UTF-8");
    }

    private static android.content.Intent view(String address) {
        android.content.Intent intent = new android.content.Intent(android.content.Intent.ACTION_VIEW);
        intent.setData(android.net.Uri.parse(address));
        return intent;
    }
}

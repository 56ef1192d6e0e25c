package android.content;

import fake.World;

public abstract class Context {
    public ContentResolver getContentResolver() {
        return new ContentResolver();
    }

    public String getPackageName() {
        return "lantern.ring";
    }

    public final String getString(int id) {
        return "string " + id;
    }

    public android.content.res.Resources getResources() {
        return new android.content.res.Resources();
    }

    public int checkSelfPermission(String permission) {
        boolean allowed = World.cameraAllowed && permission.equals("android.permission.CAMERA");
        return allowed ? 0 : -1;
    }

    public java.io.File getFilesDir() {
        return World.own;
    }

    public java.io.File getCacheDir() {
        return new java.io.File(World.own, "cache");
    }
}

package android.content;

import android.database.Cursor;
import android.net.Uri;
import android.os.ParcelFileDescriptor;
import java.io.FileNotFoundException;

public abstract class ContentProvider {
    public final Context getContext() {
        return new Context() {};
    }

    public ParcelFileDescriptor openFile(Uri address, String mode) throws FileNotFoundException {
        throw new FileNotFoundException();
    }

    public abstract boolean onCreate();

    public abstract Cursor query(Uri address, String[] wanted, String where, String[] arguments, String order);

    public abstract String getType(Uri address);

    public abstract Uri insert(Uri address, ContentValues values);

    public abstract int delete(Uri address, String where, String[] arguments);

    public abstract int update(Uri address, ContentValues values, String where, String[] arguments);
}
